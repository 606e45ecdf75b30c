"""Second floor, write side: one transaction a service. Lock, check, save, lay anew, tell the feed."""
