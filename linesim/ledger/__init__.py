"""The ledger: every cost of a run in one currency, in rows that add up to the minor unit under any grouping.

Every row says where (line, operation), what for (item, cause, what), how much (quantity, unit, price) and the amount in
minor units (hundredths) of the currency, rounded once. Minutes that went into scrapped parts, into cutting
again and into gauging are moved out of machine hours and labour, and scrapped castings out of castings, so that nothing
stands in it twice.

The rows of a plan are fixed (`Ledger.heads`); a run fills in what each comes to (`Ledger.entries`), and from that come
both the table of rows and the sums by which studies price their runs. `linesim.ledger.ledger.COSTS` lists all costs.

What a run does not tell apart is shared out, and each way of sharing leaves the sum as it is:

* Minutes of scrapped parts are taken in proportion from the cutting, loading and gauging of the operation where they
  were spent, and put down where the part was scrapped, shared over its causes by their number.
* People paid by time used fall to operations by their minutes of changing and repair; paid by attendance, they stand
  under "works" of each line that calls on them, in proportion to the same minutes.
* New cutters that a breakage called for fall to the operation where it happened; those that replace used-up ones, and
  regrinds, by the sets that came off there dull. The tool grinders' time is shared by regrinds times mean minutes.
* Quality loss of size and roughness stands under the operation that cuts the feature last; that of scratches, which
  come from moves and clamping, under "whole line", as do castings and stock in process.
"""

from linesim.ledger.entries import COLUMNS, ITEMS, Item
from linesim.ledger.ledger import Ledger, ledger_rows
from linesim.ledger.parts import by_part, quality_loss_of_part
from linesim.ledger.sharing import share_out
from linesim.ledger.sums import between, by, per_good_part, total_minor_units

__all__ = [
    "COLUMNS",
    "ITEMS",
    "Item",
    "Ledger",
    "between",
    "by",
    "by_part",
    "ledger_rows",
    "per_good_part",
    "quality_loss_of_part",
    "share_out",
    "total_minor_units",
]
