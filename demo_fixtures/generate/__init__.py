"""Writes the demo shop: `python -m demo_fixtures.generate`, the same files on every run."""
