"""Addresses of a person's own account and of everybody's: signing in further, People."""

from django.urls import path

from clinic.views import second_factor

urlpatterns = [
    path("sign-in/code", second_factor.second_factor, name="second_factor"),
    path("sign-in/telephone", second_factor.set_up_second_factor, name="set_up_second_factor"),
]
