export default function First() {
  return <main>Staveward</main>;
}
