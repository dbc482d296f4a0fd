export const CONTENT_POLICY: string;
export const PERMISSIONS_POLICY: string;
export const RESPONSE_HEADERS: Readonly<Record<string, string>>;
