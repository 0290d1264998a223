"""Reports: pictures, terminal pages, one HTML page, CSV folders; all of them from finished results."""
