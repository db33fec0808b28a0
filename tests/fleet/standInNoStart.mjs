/** A worker that cannot be loaded. */
throw new Error('broken while loading');
