/** A flow so far from what it was asks whether this is the tip: less than the step from one usual tip size to the next. Judgement. */
export const OTHER_TIP = 0.16;
