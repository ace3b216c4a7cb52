"""The design in a browser: one document, its revisions, and a server on this machine.

Python owns the document, the undo stack and every verdict, number and sentence; the
page draws what it is sent. Nothing here is loaded by any other command, and nothing
is reachable from another machine.
"""
