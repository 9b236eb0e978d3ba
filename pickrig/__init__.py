"""Put the right machine on the right ground, and show the working."""

__version__ = "0.1.0"
