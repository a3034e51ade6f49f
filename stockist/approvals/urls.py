"""The addresses of approvals, of what they rest on, and of what is missing."""

from __future__ import annotations

from django.urls import path

from stockist.approvals import approval, evidence, lists, marks, missing, register, saying

app_name = "approvals"
urlpatterns = [
    path("", register.register, name="register"),
    path("register.<str:kind>", register.register_file, name="register-file"),
    path("lists/", lists.lists, name="lists"),
    path("lists/<int:number>/", lists.one_list, name="list"),
    path("lists/<int:number>/card/", lists.card, name="card"),
    path("missing/", missing.missing, name="missing"),
    path("missing.<str:kind>", missing.missing_file, name="missing-file"),
    path("evidence/", evidence.papers, name="papers"),
    path("evidence/record/", evidence.record, name="record"),
    path("evidence/<int:number>/", evidence.paper, name="paper"),
    path("evidence/<int:number>/file/", evidence.paper_file, name="paper-file"),
    path("evidence/<int:number>/check/", evidence.check, name="check"),
    path("evidence/<int:number>/result/", evidence.result, name="result"),
    path("evidence/<int:number>/correct/", evidence.correct, name="correct"),
    path("enter/", saying.enter, name="enter"),
    path("new-issue/", saying.new_issue, name="new-issue"),
    path("marks/", marks.listed, name="marks"),
    path("marks/record/", marks.record, name="record-mark"),
    path("marks/<int:number>/", marks.one, name="mark"),
    path("marks/<int:number>/change/", marks.change, name="change-mark"),
    path("<int:number>/", approval.approval, name="approval"),
    path("<int:number>/period/", saying.period, name="period"),
    path("<int:number>/correct/<int:version>/", saying.correct, name="correct-version"),
    path("<int:number>/withdraw/", approval.withdraw, name="withdraw"),
    path("<int:number>/supersede/", approval.supersede, name="supersede"),
]
