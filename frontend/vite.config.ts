import { dirname, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import preact from '@preact/preset-vite';
import type { Plugin, Rolldown } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';
import { defineConfig } from 'vitest/config';

const here = dirname(fileURLToPath(import.meta.url));
const testsDir = resolve(here, '../tests/web') + sep;
const tests = (files: string): string => `${testsDir}**/${files}`;
const ALONE = [tests('*.alone.test.ts')];
const backend = process.env.STAVEWARD_BACKEND ?? 'http://127.0.0.1:8000';

/** The tests live in ../tests/web, outside this folder's node_modules: look packages up from here for them. */
function packagesForTests(): Plugin {
  return {
    name: 'staveward-packages-for-tests',
    enforce: 'pre',
    async resolveId(source, importer) {
      if (!importer?.startsWith(testsDir) || /^[./\0]/.test(source)) return null;
      return this.resolve(source, resolve(here, 'package.json'), { skipSelf: true });
    },
  };
}

/** What the page's own script imports at once, and what that imports: all of it is needed before anything shows. */
function firstLoad(): (
  id: string,
  context: { getModuleInfo: (id: string) => Rolldown.ModuleInfo | null },
) => string | null {
  const known = new Set<string>();
  return (id, modules) => {
    const ahead = known.size === 0 ? [resolve(here, 'src/main.tsx')] : [];
    for (let one = ahead.pop(); one !== undefined; one = ahead.pop()) {
      if (known.has(one)) continue;
      known.add(one);
      ahead.push(...(modules.getModuleInfo(one)?.importedIds ?? []));
    }
    return known.has(id) ? 'first' : null;
  };
}

export default defineConfig({
  resolve: { alias: { '~': resolve(here, 'src') } },
  plugins: [
    packagesForTests(),
    preact(),
    VitePWA({
      strategies: 'injectManifest',
      srcDir: 'src/sw',
      filename: 'sw.js',
      // The worker's source is src/sw/index.ts; at the site's root it is called sw.js.
      integration: {
        configureCustomSWViteBuild(config) {
          const options = config.build?.rollupOptions;
          if (options) options.input = resolve(here, 'src/sw/index.ts');
        },
      },
      // The page registers the worker itself and asks before a new version takes over; nothing inline, for the strict CSP.
      injectRegister: false,
      registerType: 'prompt',
      injectManifest: {
        globPatterns: ['**/*.{js,css,html,svg,png,woff2,wasm,webmanifest}'],
        maximumFileSizeToCacheInBytes: 3_000_000,
      },
      manifest: {
        id: '/',
        name: 'Staveward',
        short_name: 'Staveward',
        description: "The log of a club's own small barrels: what is due, what is in them, what is left.",
        lang: 'en',
        start_url: '/',
        scope: '/',
        display: 'standalone',
        background_color: '#101413',
        theme_color: '#101413',
        icons: [
          { src: '/icons/icon.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
          { src: '/icons/icon-192.png', sizes: '192x192', type: 'image/png', purpose: 'any' },
          { src: '/icons/icon-512.png', sizes: '512x512', type: 'image/png', purpose: 'any' },
          { src: '/icons/icon-maskable-512.png', sizes: '512x512', type: 'image/png', purpose: 'maskable' },
        ],
      },
    }),
  ],
  build: {
    outDir: 'dist',
    target: 'es2022',
    // data: URLs are not in the content policy.
    assetsInlineLimit: 0,
    sourcemap: false,
    // One piece instead of the twenty that the late screens' own needs would cut it into: it compresses better so.
    rolldownOptions: { output: { codeSplitting: { groups: [{ name: firstLoad() }] } } },
  },
  server: {
    fs: { allow: [here, resolve(here, '..')] },
    proxy: {
      '/api': backend,
      '/_allauth': backend,
      '/accounts': backend,
    },
  },
  test: {
    environment: 'jsdom',
    globals: false,
    // The contrast test reads the tokens themselves; other style sheets stay out of the tests.
    css: { include: [/tokens\.css/] },
    setupFiles: [resolve(here, '../tests/web/setup.ts')],
    server: { deps: { inline: [/preact/, /testing-library/] } },
    // Making a browser's document for each file costs more than its tests: those without a screen share a few. A
    // screen has one of its own, and so has what is named so because it puts another module in a module's place.
    projects: [
      {
        extends: true,
        test: { name: 'words', isolate: false, include: [tests('*.test.ts')], exclude: ALONE },
      },
      { extends: true, test: { name: 'screens', include: [tests('*.test.tsx'), ...ALONE] } },
    ],
  },
});
