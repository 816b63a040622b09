export async function benchExploration(): Promise<void> {}
