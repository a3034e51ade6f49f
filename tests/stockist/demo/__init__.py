"""A package, unlike its neighbours, so that its package-scoped `shop` ends with its last test."""
