"""Drawings, pages and files: shapes to bytes. No pedal, no physics."""
