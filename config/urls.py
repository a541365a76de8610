"""Addresses. Each app names its own; every view named here or there has its row in `config.access`."""

from allauth.account.views import logout
from django.urls import include, path, re_path

from config import views
from surveys.views.home import home
from surveys.views.public import public_hood, public_label

urlpatterns = [
    path("", home, name="home"),
    # Printed on labels for ever; typed by hand too, so small letters, spaces and dashes lead to the same page.
    re_path(r"^[Hh]/(?P<code>[^/]{1,40})/?$", public_hood, name="public_hood"),
    re_path(r"^[Hh]/(?P<code>[^/]{1,40})/(?P<issue>[0-9]{1,6})/?$", public_label, name="public_label"),
    path("sign-in/", views.SignIn.as_view(), name="account_login"),
    path("sign-out/", logout, name="account_logout"),
    path("password/", views.ChangePassword.as_view(), name="account_change_password"),
    path("password/<uidb64>/<token>/", views.SetPassword.as_view(), name="set_password"),
    path("site/choose/", views.choose_site, name="choose_site"),
    path("", include("hoods.urls")),
    path("", include("surveys.urls")),
    path("", include("reports.urls")),
]
