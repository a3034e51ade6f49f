"""How much of a file is taken before it is refused."""

MEGABYTE = 1024 * 1024
# A scanned letter of some pages, or a photograph of today's telephones.
MOST_BYTES = 20 * MEGABYTE
# Beyond this a request's file is read and thrown away: no room keeps files as large.
MOST_BYTES_SENT = 25 * MEGABYTE
MOST_PIXELS = 50_000_000
MOST_BYTES_UNPACKED = 64 * MEGABYTE
