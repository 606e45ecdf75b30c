"""Backup and restore: the copy is whole, and the devices learn of it."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from staveward.management.commands.backup import copy_database
from staveward.models import Club
from staveward.services.restores import feeds_renew

pytestmark = pytest.mark.django_db


def test_it_renews_the_feed_of_every_club():
    clubs = [Club.objects.create(slug=slug, name=slug) for slug in ("one", "two")]

    assert feeds_renew() == 2

    renewed = {club.pk: club.feed_id for club in Club.objects.all()}
    assert all(renewed[club.pk] != club.feed_id for club in clubs)
    assert len(set(renewed.values())) == 2


def test_the_command_says_how_many_clubs(capsys: pytest.CaptureFixture[str]):
    Club.objects.create(slug="one", name="one")

    call_command("after_restore")

    assert capsys.readouterr().out.startswith("1 club: ")


def test_a_copy_is_whole_and_for_its_owner_only(tmp_path: Path):
    source = tmp_path / "club.sqlite3"
    writer = sqlite3.connect(source)
    writer.execute("CREATE TABLE log (entry TEXT)")
    writer.execute("INSERT INTO log VALUES ('kept')")
    writer.commit()
    copy = tmp_path / "copy.sqlite3"

    copy_database(source, copy)

    assert sqlite3.connect(copy).execute("SELECT entry FROM log").fetchall() == [("kept",)]
    assert copy.stat().st_mode & 0o077 == 0


def test_the_command_refuses_to_overwrite_and_leaves_postgresql_to_its_own_tool(tmp_path: Path):
    target = tmp_path / "there.sqlite3"
    target.write_text("an older backup")

    with pytest.raises(CommandError, match="exists already" if connection.vendor == "sqlite" else "pg_dump"):
        call_command("backup", str(target))

    assert target.read_text() == "an older backup"
