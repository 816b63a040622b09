/** Small procedures for single questions. */
export const HEAD = `procedure: small
title: Small procedure
revision: 1
status: released
purpose: fault_finding
complaint: It does not work.
faults:
  fuse: {title: Fuse open, remedy: Find the overload., time: 10 min}
  motor: {title: Motor failed, remedy: Replace the motor., time: 60 min}
  wire: {title: Wire broken, remedy: Repair the wire., time: 20 min}
`;
