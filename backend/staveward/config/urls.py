"""Every address: the API, the sign-in, and the web app for all the rest."""

from __future__ import annotations

from django.urls import include, path, re_path

from staveward.config import views

urlpatterns = [
    path("api/v1/", include("staveward.api.urls")),
    path("_allauth/", include("allauth.headless.urls")),
    # A name with a dot is a file, and a file that WhiteNoise did not find is not a screen.
    re_path(r"^(?!api/|_allauth/|static/|assets/)[^.]*$", views.web_app, name="web_app"),
]

handler400 = "staveward.config.views.bad_request"
handler403 = "staveward.config.views.forbidden"
handler404 = "staveward.config.views.not_found"
handler500 = "staveward.config.views.server_error"
