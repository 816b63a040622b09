/** A YAML file imported as its text: the bundler and the test runner both hand it over unread. */
declare module '*.yaml' {
  const text: string;
  export default text;
}
