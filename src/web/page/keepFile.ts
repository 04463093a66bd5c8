/** Files that the page hands to the person: nothing leaves the machine. */

/** Offers a text as a file. */
export function keepText(text: string, name: string, type: string): void {
  offer(new Blob([text], { type }), name);
}

/** Offers an SVG picture as PNG, twice as fine as it is on the screen. */
export async function keepPng(svg: string, name: string): Promise<void> {
  const image = new Image();
  const address = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
  image.src = address;
  await image.decode();
  const canvas = document.createElement("canvas");
  canvas.width = 2 * image.naturalWidth;
  canvas.height = 2 * image.naturalHeight;
  canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
  URL.revokeObjectURL(address);
  canvas.toBlob((blob) => {
    if (blob !== null) offer(blob, name);
  }, "image/png");
}

function offer(blob: Blob, name: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}
