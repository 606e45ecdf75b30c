"""The demo club: an invented scenario whose history the science floor itself makes, written through the services."""
