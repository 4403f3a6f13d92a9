/** A file that comes into a bundle as its text. */
declare module '*.csv?raw' {
  const text: string;
  export = text;
}
