"""The pages of one question in depth: what may be told beside the job in, sentences, tables and pictures out."""
