/**
 * Compiles the kernels to WebAssembly and writes them as a module of text, so that whoever uses them
 * reads no file: `src/signal/kernels-binary.ts`, which is made anew when a kernel has changed.
 */
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';

const folder = import.meta.dirname;
const target = path.join(folder, '../signal/kernels-binary.ts');

const changedMs = file => statSync(file, { throwIfNoEntry: false })?.mtimeMs ?? 0;

async function compile() {
  // Only here: loading the compiler takes longer than finding that it is not needed.
  const { default: asc } = await import('assemblyscript/asc');
  let binary;
  // Without a run time: kernels own no memory but what they lay out.
  const options = ['-O3', '--runtime', 'stub', '--enable', 'simd', '--noAssert'];
  const { error, stderr } = await asc.main(['index.ts', ...options, '--outFile', 'kernels.wasm'], {
    readFile: (name, base) => {
      const file = path.resolve(folder, base, name);
      return statSync(file, { throwIfNoEntry: false }) ? readFileSync(file, 'utf8') : null;
    },
    writeFile: (_name, contents) => {
      binary = contents;
    },
    listFiles: () => [],
  });
  if (error) throw new Error(`the kernels do not compile: ${error.message}\n${stderr}`);
  return Buffer.from(binary).toString('base64');
}

const sources = readdirSync(folder).map(file => path.join(folder, file));
if (changedMs(target) < Math.max(...sources.map(changedMs))) {
  const text = await compile();
  writeFileSync(
    target,
    `/** Made by src/kernels/build.js: WebAssembly, in base64. */\nexport const KERNELS_BINARY =\n  '${text}';\n`,
  );
}
