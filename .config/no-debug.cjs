// Stands in for the package `debug` in the browser's bundle: some modules of @stdlib carry debugging calls that nobody
// here can switch on, and the package is 2 kB of a budget of 80.
const silent = () => {};
module.exports = () => silent;
