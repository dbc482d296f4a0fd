// Stands in for @stdlib/string-format in the browser's bundle: @stdlib formats only the messages of its own errors with it,
// which nobody sees here, and the full one is 3 kB of the worker's budget of 80.
module.exports = (template, ...values) => [template, ...values].join(' ');
