"""Addresses of the surveillance pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
