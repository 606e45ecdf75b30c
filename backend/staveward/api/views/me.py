"""Who is signed in, and whether the service is well."""

from __future__ import annotations

from django.db import connection
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api.schema import documented
from staveward.api.serializers.people import HealthOutput, MeOutput
from staveward.api.views.base import ApiView
from staveward.models import Person


class MeView(ApiView):
    """The account of the session, and its person in each club. Sets the token's cookie in any case."""

    @documented("meGet", {200: MeOutput}, problems=(401,), tag="me", summary="Who is signed in")
    def get(self, request: Request) -> Response:
        user = self.user()
        persons = Person.objects.filter(user=user, left_at__isnull=True).select_related("club")
        return Response(
            {
                "user": {"id": user.pk, "email": user.email},
                "persons": [
                    {
                        "id": person.pk,
                        "name": person.name,
                        "role": person.role,
                        "club": {"id": person.club.pk, "slug": person.club.slug, "name": person.club.name},
                    }
                    for person in persons.order_by("club__name", "id")
                ],
            }
        )


class HealthView(ApiView):
    """Whether the database answers; for a proxy or a monitor, with nothing about a club in it."""

    authentication_classes = ()
    permission_classes = (AllowAny,)

    @documented(
        "healthGet", {200: HealthOutput}, problems=(), tag="me", summary="Is the service well", auth=[]
    )
    def get(self, request: Request) -> Response:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
        return Response({"status": "ok"})
