/* What jobs need beside their entries: the routes their headers name, and the tables routes are composed from. */
import type { Step } from "../journal/route";
import { findCatalogue, findDevice, findWorkshop, keepCatalogue } from "../store/meta";
import { keepRoutes, listMissingRoutes } from "../store/routes";
import { yieldTurn } from "../store/turns";
import type { Catalogue as Tables } from "../trade/catalogue";
import { askJson, type Fetch } from "./exchange";
import { Catalogue, Routes } from "./wire";

const ROUTES_AT_ONCE = 200;

/** Returns the jobs that can be shown now. */
export async function fetchTradeData(fetcher: Fetch): Promise<string[]> {
  const device = await findDevice();
  if (!device) return [];
  const jobs = await fetchRoutes(fetcher, device.token);
  await fetchCatalogue(fetcher, device.token);
  return jobs;
}

async function fetchRoutes(fetcher: Fetch, token: string): Promise<string[]> {
  const missing = await listMissingRoutes();
  const jobs: string[] = [];
  for (let start = 0; start < missing.length; start += ROUTES_AT_ONCE) {
    const routes = missing.slice(start, start + ROUTES_AT_ONCE);
    const answer = await askJson(fetcher, token, "/api/routes", Routes, { routes });
    const rows = Object.entries(answer.routes).map(([sha256, places]) => ({
      sha256,
      steps: places.flatMap((at) => (answer.steps[at] as Step | undefined) ?? []),
    }));
    jobs.push(...(await keepRoutes(rows)));
    await yieldTurn();
  }
  return jobs;
}

async function fetchCatalogue(fetcher: Fetch, token: string): Promise<void> {
  const wanted = (await findWorkshop())?.catalogue;
  if (!wanted || wanted === (await findCatalogue())?.version) return;
  const catalogue = await askJson(fetcher, token, "/api/catalogue", Catalogue);
  await keepCatalogue(catalogue as unknown as Tables);
}
