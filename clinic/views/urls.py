"""Addresses of the record's pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
