"""Fixes tried out on a build: what each clears and breaks, and the smallest set that is enough."""
