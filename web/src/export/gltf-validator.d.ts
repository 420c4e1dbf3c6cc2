declare module "gltf-validator" {
  export interface Message {
    code: string;
    message: string;
    severity: number;
    pointer?: string;
  }
  export interface Report {
    issues: { numErrors: number; numWarnings: number; messages: Message[] };
  }
  export function validateBytes(
    data: Uint8Array,
    options?: { maxIssues?: number },
  ): Promise<Report>;
}
