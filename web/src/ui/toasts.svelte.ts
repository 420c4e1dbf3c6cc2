/** A short message that goes away by itself. */
export interface Toast {
  id: number;
  text: string;
  kind: "done" | "failed";
}

class Toasts {
  #list = $state.raw<Toast[]>([]);
  #next = 1;

  get list(): Toast[] {
    return this.#list;
  }

  /** Says that something is done. */
  done(text: string): void {
    this.#show(text, "done", 4000);
  }

  /** Says that something did not work; it stays longer. */
  failed(text: string): void {
    this.#show(text, "failed", 10_000);
  }

  close(id: number): void {
    this.#list = this.#list.filter((t) => t.id !== id);
  }

  #show(text: string, kind: Toast["kind"], ms: number): void {
    const id = this.#next++;
    this.#list = [...this.#list.slice(-2), { id, text, kind }];
    setTimeout(() => this.close(id), ms);
  }
}

export const toasts = new Toasts();
