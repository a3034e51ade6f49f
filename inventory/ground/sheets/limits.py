"""How much of a spreadsheet is read before it is refused."""

MOST_ROWS = 50_000
MOST_COLUMNS = 100
MOST_BYTES = 20 * 1024 * 1024
MOST_BYTES_UNPACKED = 150 * 1024 * 1024
MOST_SHOWN = 500
