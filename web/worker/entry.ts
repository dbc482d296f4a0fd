import * as Comlink from 'comlink';
import { createBenchService } from './bench-service.ts';

Comlink.expose(createBenchService());
