"""Deciding under what is not known: lives drawn within their intervals, and what each policy loses over them."""
