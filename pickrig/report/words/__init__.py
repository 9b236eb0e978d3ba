"""Statements become sentences: a folder of catalogues for each language, and the voice that reads them.

Another language is another folder. Its tests say what is missing.
"""
