/** A released procedure of which revision, limit and status are what a test is about. */
export const supplyText = (revision: number, limit: string, status = 'released'): string => `procedure: supply
title: Supply low
revision: ${revision}
status: ${status}
approved: {by: Workshop standards group, on: 2026-08-03}
purpose: inspection
steps:
  - step: supply
    measure: dc_voltage
    results:
      - when: at least ${limit}
        passes: true
      - when: below ${limit}
        refer: Fetch a charged battery.
`;
