/** Changes with any change that can change a number. */
export const estimatorVersion = 'mask-ols-lf 2';
