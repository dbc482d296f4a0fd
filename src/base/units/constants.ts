/** Exact factors, by definition (NIST Handbook 44 Appendix C; NIST SP 811). SI unit in the name. */
export const POUND_KG = 0.45359237;
export const OUNCE_KG = POUND_KG / 16;
export const FOOT_M = 0.3048;
export const US_GALLON_M3 = 3.785411784e-3;
export const US_FLUID_OUNCE_M3 = US_GALLON_M3 / 128;
export const LITRE_M3 = 1e-3;
/** lbf/in² with standard gravity 9.80665 m/s² (exact to the digits shown; vocabulary of this project). */
export const PSI_PA = 6894.757293168;
export const BAR_PA = 1e5;
export const MINUTE_S = 60;
