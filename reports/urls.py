"""Addresses of the reports pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
