"""The pages about the tool: those written by hand are beside this file, those made from the code come from `made`."""
