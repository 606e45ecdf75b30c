"""Every address of the API, one collection a line."""

from __future__ import annotations

from django.urls import URLPattern, path

from staveward.api.views.acts import ACT_VIEWS
from staveward.api.views.barrels import BarrelListView, BarrelLogView, BarrelView, TagView
from staveward.api.views.bottles import BottleListView, BottleTagView, BottleView
from staveward.api.views.clubs import ClubDetailView
from staveward.api.views.flights import FLIGHT_ENTRY_VIEWS, FlightListView, FlightView
from staveward.api.views.me import HealthView, MeView
from staveward.api.views.photos import PhotoView
from staveward.api.views.reads import ChangesView, TrayView, WalkView
from staveward.api.views.recipes import RecipeListView, RecipeVersionListView, RecipeView
from staveward.api.views.registers import PersonListView, PersonView, PlaceListView, PlaceView
from staveward.api.views.report import ReportCsvView, ReportView
from staveward.api.views.reservations import (
    BarrelSuggestionsView,
    ReservationDecisionView,
    ReservationListView,
    ReservationView,
)
from staveward.api.views.schema import SchemaView
from staveward.api.views.vessels import VesselListView, VesselView

CLUB = "clubs/<str:club>"

acts: list[URLPattern] = [
    path(f"{CLUB}/{collection}/<str:id>", view.as_view(), name=collection)
    for collection, view in ACT_VIEWS.items()
]

urlpatterns = [
    path("health", HealthView.as_view(), name="health"),
    path("schema", SchemaView.as_view(), name="schema"),
    path("me", MeView.as_view(), name="me"),
    path(CLUB, ClubDetailView.as_view(), name="club"),
    path(f"{CLUB}/places", PlaceListView.as_view(), name="places"),
    path(f"{CLUB}/places/<str:id>", PlaceView.as_view(), name="place"),
    path(f"{CLUB}/people", PersonListView.as_view(), name="people"),
    path(f"{CLUB}/people/<str:id>", PersonView.as_view(), name="person"),
    path(f"{CLUB}/recipes", RecipeListView.as_view(), name="recipes"),
    path(f"{CLUB}/recipes/<str:id>", RecipeView.as_view(), name="recipe"),
    path(f"{CLUB}/recipes/<str:id>/versions", RecipeVersionListView.as_view(), name="recipe-versions"),
    path(f"{CLUB}/barrels", BarrelListView.as_view(), name="barrels"),
    path(f"{CLUB}/barrels/<str:id>", BarrelView.as_view(), name="barrel"),
    path(f"{CLUB}/barrels/<str:id>/log", BarrelLogView.as_view(), name="barrel-log"),
    path(f"{CLUB}/tags/<str:code>", TagView.as_view(), name="tag"),
    path(f"{CLUB}/walk", WalkView.as_view(), name="walk"),
    path(f"{CLUB}/tray", TrayView.as_view(), name="tray"),
    path(f"{CLUB}/reservations", ReservationListView.as_view(), name="reservations"),
    path(f"{CLUB}/reservations/<str:id>", ReservationView.as_view(), name="reservation"),
    path(
        f"{CLUB}/reservation-decisions/<str:id>",
        ReservationDecisionView.as_view(),
        name="reservation-decision",
    ),
    path(f"{CLUB}/barrel-suggestions", BarrelSuggestionsView.as_view(), name="barrel-suggestions"),
    path(f"{CLUB}/photos/<str:id>", PhotoView.as_view(), name="photo"),
    path(f"{CLUB}/vessels", VesselListView.as_view(), name="vessels"),
    path(f"{CLUB}/vessels/<str:id>", VesselView.as_view(), name="vessel"),
    path(f"{CLUB}/bottles", BottleListView.as_view(), name="bottles"),
    path(f"{CLUB}/bottles/<str:id>", BottleView.as_view(), name="bottle"),
    path(f"{CLUB}/bottle-tags/<str:code>", BottleTagView.as_view(), name="bottle-tag"),
    path(f"{CLUB}/flights", FlightListView.as_view(), name="flights"),
    path(f"{CLUB}/flights/<str:id>", FlightView.as_view(), name="flight"),
    *(
        path(f"{CLUB}/{collection}/<str:id>", view.as_view(), name=collection)
        for collection, view in FLIGHT_ENTRY_VIEWS.items()
    ),
    path(f"{CLUB}/report", ReportView.as_view(), name="report"),
    path(f"{CLUB}/report.csv", ReportCsvView.as_view(), name="report-csv"),
    path(f"{CLUB}/changes", ChangesView.as_view(), name="changes"),
    *acts,
]
