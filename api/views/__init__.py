"""One file a resource. A view makes one call of an action or a query, and presents its answer."""
