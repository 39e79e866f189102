"""How alembic reaches the database: by the connection the store hands it, within the store's transaction."""

from alembic import context

import core.store.page  # noqa: F401 - its tables belong to the lasting ones
from core.store.tables import LASTING

context.configure(connection=context.config.attributes["connection"], target_metadata=LASTING, compare_type=True)
with context.begin_transaction():
    context.run_migrations()
