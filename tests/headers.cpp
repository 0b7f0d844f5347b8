// A target of precompiled headers needs a source.
