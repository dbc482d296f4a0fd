/**
 * A catch timed by thumb under this is doubtful: the water still on its way at either press is then too much of it.
 * Common practice (several seconds at least), no source. In a file of its own so that the page can have it without the estimators.
 */
export const SHORT_HAND_CATCH_s = 8;
