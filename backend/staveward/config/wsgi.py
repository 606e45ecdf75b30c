"""The callable that a WSGI server runs."""

import os

from django.core.wsgi import get_wsgi_application
from django.urls import resolve

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "staveward.config.settings")

application = get_wsgi_application()
# The addresses, and with them every view, are loaded here and not by whoever comes first.
resolve("/api/v1/me")
