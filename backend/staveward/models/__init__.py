"""First floor: rows, constraints and simple properties. No rule of the trade lives here.

The ledger of acts (``acts``) is append-only. Stays, care marks and forecasts are projections of it.
"""

from staveward.models.acts import Act, Placement
from staveward.models.barrels import Barrel, BarrelMeasure, FormerTag, OwnerShare, Repair
from staveward.models.bottles import Bottle, BottleChange, Bottling, BottlingShare
from staveward.models.clubs import Change, Club, Place
from staveward.models.fills import Decant, Fill, FillPart, FillShare
from staveward.models.flights import BlindTasting, Flight, FlightGlass, FlightTaster
from staveward.models.forecasts import Forecast, ForecastScore, Job
from staveward.models.holds import Curing, Hold
from staveward.models.people import Person, Role, User
from staveward.models.photos import Photo
from staveward.models.readings import Reading
from staveward.models.recipes import Recipe, RecipeVersion
from staveward.models.reservations import (
    HOLDS_DAYS,
    Reservation,
    ReservationDay,
    ReservationEnd,
    ReservationShare,
    ReservationState,
)
from staveward.models.stays import CareMark, Stay, StayKind
from staveward.models.tastings import Sample, Tasting
from staveward.models.tendings import Tending
from staveward.models.troubles import Notice, Trouble, TroubleSettlement
from staveward.models.vessels import Vessel, VesselDraw, VesselShare

__all__ = [
    "HOLDS_DAYS",
    "Act",
    "Barrel",
    "BarrelMeasure",
    "BlindTasting",
    "Bottle",
    "BottleChange",
    "Bottling",
    "BottlingShare",
    "CareMark",
    "Change",
    "Club",
    "Curing",
    "Decant",
    "Fill",
    "FillPart",
    "FillShare",
    "Flight",
    "FlightGlass",
    "FlightTaster",
    "Forecast",
    "ForecastScore",
    "FormerTag",
    "Hold",
    "Job",
    "Notice",
    "OwnerShare",
    "Person",
    "Photo",
    "Place",
    "Placement",
    "Reading",
    "Recipe",
    "RecipeVersion",
    "Repair",
    "Reservation",
    "ReservationDay",
    "ReservationEnd",
    "ReservationShare",
    "ReservationState",
    "Role",
    "Sample",
    "Stay",
    "StayKind",
    "Tasting",
    "Tending",
    "Trouble",
    "TroubleSettlement",
    "User",
    "Vessel",
    "VesselDraw",
    "VesselShare",
]
