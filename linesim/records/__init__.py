"""A shop's own records: files are read by a mapping, rows are checked, coefficients are fitted with their intervals.

The rooms, in the order in which data passes through them: ``kinds`` (what a record may hold), ``tables`` (a file
becomes cells), ``cells`` (a cell becomes a value), ``guess`` and ``mapping`` (which heading means what), ``reading``
(rows that can be used, and rows set aside with the reason), then the fits. No engine and no screen is known here.
"""
