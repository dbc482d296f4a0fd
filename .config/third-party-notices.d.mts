import type { Plugin } from 'vite';
export function thirdPartyNotices(): { readonly page: Plugin; readonly worker: Plugin };
