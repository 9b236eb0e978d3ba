"""Fetching for a site: the only part of pickrig that talks to a network, and only when somebody asks for it."""
