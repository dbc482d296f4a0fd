/** One line in the set-up; what is under it is loaded when it is there. */
export const plumbingSummary = 'What lies between gauge and tip';
