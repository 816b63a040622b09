export async function benchFlow(): Promise<void> {}
