"""Long work cut into chunks: worked out here, by several processes or on a cluster; kept, and taken up again.

Whoever cuts it fixes the size of the chunks, and lets the result of each depend on its number only. Then the whole is
the same to the last bit, whoever works out which chunk, and when.
"""

from loopsim.studies.chunks.kept import Columns, Kept, each_kept, fingerprint
from loopsim.studies.chunks.workers import HERE, Workers, each_done

__all__ = ["HERE", "Columns", "Kept", "Workers", "each_done", "each_kept", "fingerprint"]
