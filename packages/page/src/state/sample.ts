/** The sample as it stands in the page: a JSON list of names and texts, deflated, in base64. */
export async function unpackedFiles(packed: string): Promise<File[]> {
  const bytes = Uint8Array.from(atob(packed.trim()), (character) => character.charCodeAt(0));
  const text = await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate'))).text();
  const files = JSON.parse(text) as readonly { readonly name: string; readonly text: string }[];
  return files.map(({ name, text: inside }) => new File([inside], name));
}
