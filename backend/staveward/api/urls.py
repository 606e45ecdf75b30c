"""The addresses of the API."""

urlpatterns: list = []
