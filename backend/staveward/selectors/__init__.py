"""Second floor, read side: never writes, never calls a service."""
