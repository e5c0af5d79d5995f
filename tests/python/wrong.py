"""What every part of the recomputation says when the lines contradict themselves."""


class Wrong(Exception):
    """The lines contradict themselves."""
