"""One small face for mixed-integer programs; the only room that knows the solver behind it."""
