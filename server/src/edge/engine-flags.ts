/**
 * How eagerly the engine compiles. Left to itself it spends a third of a start on compiling to the last what runs a few hundred times; that
 * pays back only in a program that repeats itself for long. None of this has a bearing on what is found.
 */
import { setFlagsFromString } from 'node:v8';

/** For a server: code is compiled to the last once it has run for longer. To be called before anything heavy runs. */
export function compileLate(): void {
  setFlagsFromString('--interrupt-budget=600000');
}

/** For thousands of files, checked on several threads that each compile for themselves: later still, and memory is asked for in smaller steps. */
export function compileLatest(): void {
  setFlagsFromString('--interrupt-budget=1000000');
  setFlagsFromString('--heap-growing-percent=40');
}
