// Files that the bundler takes in as text.
declare module "*.py" {
  const text: string;
  export default text;
}
