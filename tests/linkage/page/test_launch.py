"""A server that is about to run."""

import gc

from linkage.page.guard import Guard
from linkage.page.journal import Journal
from linkage.page.launch import settled, web_server
from linkage.page.server import application
from linkage.page.session import Session


def test_garbage_is_not_looked_for_among_what_was_loaded() -> None:
    """Else a drag stands still for as long as a look through the whole program takes."""
    journal = Journal(None)
    guard = Guard(application(Session("", "x.toml", None, journal), journal), port=1)
    gc.unfreeze()
    loaded = len(gc.get_objects())
    try:
        settled(web_server(guard))
        assert gc.get_freeze_count() >= loaded
        assert len(gc.get_objects()) < 0.05 * loaded
    finally:
        gc.unfreeze()
        journal.close()
