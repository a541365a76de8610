"""Addresses. Each app names its own; every view named here or there has its row in `config.access`."""

from allauth.account.views import login, logout, password_change
from django.urls import include, path

from config import views

urlpatterns = [
    path("sign-in/", login, name="account_login"),
    path("sign-out/", logout, name="account_logout"),
    path("password/", password_change, name="account_change_password"),
    path("password/<uidb64>/<token>/", views.SetPassword.as_view(), name="set_password"),
    path("site/choose/", views.choose_site, name="choose_site"),
    path("", include("hoods.urls")),
    path("", include("surveys.urls")),
    path("", include("reports.urls")),
]
