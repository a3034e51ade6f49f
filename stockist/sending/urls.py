"""The addresses of what has left, came back, and is complained of."""

from __future__ import annotations

from django.urls import path

from stockist.sending import complaint, complaints, despatches, returns

app_name = "sending"
urlpatterns = [
    path("despatches/", despatches.despatches, name="despatches"),
    path("despatches/<int:number>/", despatches.despatch, name="despatch"),
    path("despatches/<int:number>/return/", returns.take_back, name="take-back"),
    path("despatches/lines/<int:number>/complaint/", complaints.make, name="complain"),
    path("returns/", returns.returns, name="returns"),
    path("returns/<int:number>/", returns.came_back, name="return"),
    path("complaints/", complaints.complaints, name="complaints"),
    path("complaints/<int:number>/", complaint.complaint, name="complaint"),
    path("complaints/<int:number>/maker/", complaint.to_maker, name="complaint-maker"),
    path("complaints/<int:number>/close/", complaint.close, name="complaint-close"),
    path("complaints/<int:number>/pictures/", complaint.add_picture, name="complaint-add-picture"),
    path("complaints/pictures/<int:number>/", complaint.picture, name="complaint-picture"),
]
