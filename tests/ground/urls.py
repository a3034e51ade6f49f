"""A small API and a page to try the ground on."""

from __future__ import annotations

from django import forms
from django.contrib.auth.models import Group
from django.http import HttpResponse, HttpResponseRedirect
from django.urls import path
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.views import APIView

from inventory.ground.idempotency import KeyedForm, once, once_form
from inventory.ground.refusal import Refusal
from tests.ground import calls


class NameIsSilly(Refusal):
    sentence = "Nobody would join a group of that name."


class GroupSerializer(serializers.ModelSerializer):
    class Meta:
        model = Group
        fields = ("id", "name")


class Groups(APIView):
    permission_classes = ()

    @once
    def post(self, request):
        asked = GroupSerializer(data=request.data)
        asked.is_valid(raise_exception=True)
        group = asked.save()
        calls.meet()
        if group.name == "silly":
            raise NameIsSilly(field="name")
        if group.name == "teapot":
            return Response({"detail": "short and stout"}, status=418)
        return Response(asked.data, status=201, headers={"Location": f"/groups/{group.pk}/"})


class Raising(APIView):
    permission_classes = ()

    def get(self, request):
        raise calls.to_raise.pop()


class GroupForm(KeyedForm):
    name = forms.CharField()
    file = forms.FileField(required=False)


@once_form
def page(request):
    form = GroupForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        group = Group.objects.create(name=form.cleaned_data["name"])
        if group.name != "silly":
            return HttpResponseRedirect(f"/groups/{group.pk}/")
        form.add_error("name", "Nobody would join a group of that name.")
    return HttpResponse(f"<form>{form.as_div()}</form>")


urlpatterns = [
    path("groups/", Groups.as_view()),
    path("raising/", Raising.as_view()),
    path("page/", page),
]
