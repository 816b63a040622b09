export async function benchCheck(_quick: boolean): Promise<void> {}
