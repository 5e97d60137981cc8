"""Whether charge and need fit together: how long the battery lasts, what fills it, what wears it out.

None of it can hurt anybody, and hours and weather are estimates: nothing here fails a van."""
