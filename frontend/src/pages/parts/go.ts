import { useLocation } from 'preact-iso';

/** Goes to another screen of the app. */
export function useGo(): (address: string, replace?: boolean) => void {
  const { route } = useLocation();
  return (address, replace = false) => {
    route(address, replace);
    scrollTo(0, 0);
  };
}
