"""Addresses of a person's own account and of everybody's: signing in further, People."""

from django.urls import path

from clinic.views import choose_password, grants, own_account, people, second_factor

urlpatterns = [
    path("sign-in/code", second_factor.second_factor, name="second_factor"),
    path("sign-in/telephone", second_factor.set_up_second_factor, name="set_up_second_factor"),
    path("welcome/<str:secret>/", choose_password.choose_password, name="choose_password"),
    path("account/", own_account.account, name="account"),
    path("account/activity/", own_account.activity, name="activity"),
    path("account/password/", own_account.new_password, name="new_password"),
    path("account/sessions/<uuid:uid>/end/", own_account.end_own_session, name="end_session"),
    path("account/tokens/new/", own_account.new_token, name="new_token"),
    path("account/tokens/<uuid:uid>/revoke/", own_account.revoke_own_token, name="revoke_own"),
    path("people/", people.people, name="people"),
    path("people/invite/", people.invite_person, name="invite"),
    path("people/auditor/", grants.give_audit, name="give_audit"),
    path("people/grants/<uuid:uid>/end/", people.end, name="end_grant"),
    path("people/<uuid:uid>/", people.person, name="person"),
    path("people/<uuid:uid>/grant/", grants.give, name="give_grant"),
    path("people/<uuid:uid>/link/", people.new_link, name="new_link"),
    path("people/<uuid:uid>/close/", people.close, name="close_account"),
    path("people/<uuid:uid>/tokens/<uuid:token_uid>/revoke/", people.revoke, name="revoke_token"),
]
