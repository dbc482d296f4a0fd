import * as Comlink from 'comlink';
import { createBenchService } from './bench-service.ts';
import { tellCrashes } from './tell-crashes.ts';

tellCrashes(globalThis);
Comlink.expose(createBenchService());
