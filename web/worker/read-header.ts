export { readHeader } from '../../src/signal/captures/read-header.ts';
