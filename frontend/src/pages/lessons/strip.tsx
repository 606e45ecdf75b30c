import { Sketch } from '~/components/lesson/sketch.tsx';

/** A strip in a glass of water, and the colours it is held beside. */
export function StripDrawing() {
  return (
    <Sketch>
      <path d="M12 24h28l-4 42h-20z" class="sketch__hollow sketch__glass" />
      <path d="M14 40h24l-2.4 26h-19.2z" class="sketch__water" />
      <path d="M24 6h6v46h-6z" class="sketch__line" />
      <path d="M24 44h6v8h-6z" class="sketch__spirit" />
      <path d="M62 10h20v12h-20zM62 28h20v12h-20zM62 46h20v12h-20z" class="sketch__line" />
      <path d="M62 46h20v12h-20z" class="sketch__spirit" />
    </Sketch>
  );
}
