"""What other systems take over: indicators by their standard's names, change intervals, data of the cutters."""
