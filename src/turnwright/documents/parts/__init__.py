"""Parts that several papers share, each made from the result and its working."""
