"""Prepare prints for judged exhibitions of mounted prints."""

__version__ = "0.1.0"
