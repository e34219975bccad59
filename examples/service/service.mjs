// SPDX-License-Identifier: BSL-1.0
// The service: POST /orders takes a job and answers with an order; /alternatives, /changes and /conflicts answer what one asks
// beside it. It keeps nothing between requests.
import Ajv from 'ajv';
import fastify from 'fastify';
import { availableParallelism } from 'node:os';
import { open_library } from '../javascript/open.mjs';
import { catalogues } from './catalogues.mjs';
import { Busy, PlannerPool, TooLong } from './planner_pool.mjs';
import { limits, openapi_of, questions } from './schema.mjs';

/** An error of the schema in the words of a refusal. */
function problem_of(error) {
  const { instancePath, keyword, params, data, parentSchema } = error;
  const missing = keyword === 'required' ? params.missingProperty : keyword === 'additionalProperties' ? params.additionalProperty : null;
  const at = missing === null ? instancePath : `${instancePath}/${missing}`;
  const problem = { at, field: at.split('/').pop(), text: error.message };
  const unit = /; ([^;]+)$/.exec(parentSchema?.description ?? '');
  if (unit) problem.unit = unit[1];
  if (['number', 'string', 'boolean'].includes(typeof data) && missing === null) problem.given = data;
  if (keyword === 'minimum' || keyword === 'maximum') {
    Object.assign(problem, { least: parentSchema.minimum, most: parentSchema.maximum, text: 'outside the allowed range' });
  } else if (keyword === 'required') problem.text = 'is missing';
  else if (keyword === 'additionalProperties') problem.text = 'is not known';
  else if (keyword === 'enum') problem.text = `one of ${params.allowedValues.join(', ')}`;
  return problem;
}

/** One problem a place and text: a schema that narrows another tells the narrower range. */
function problems_of(errors) {
  const told = errors.filter((error) => error.keyword !== 'if').map(problem_of);
  return [...new Map(told.map((problem) => [`${problem.at} ${problem.text}`, problem])).values()];
}

export async function make_service({ library, threads = availableParallelism(), limit_ms = 2000, queue = 64, logger = false }) {
  const tw = await open_library(library);
  const named = Object.keys(catalogues);
  const description = openapi_of(tw, named);
  const ajv = new Ajv({ allErrors: true, verbose: true, coerceTypes: false, strictTypes: false, allowUnionTypes: true });
  ajv.addVocabulary(Object.keys(description)); // the schemas are parts of it, and refer to each other
  ajv.addSchema(description, 'service');
  const pool = new PlannerPool({ library, threads, limit_ms, queue });
  const app = fastify({ logger, bodyLimit: limits.body_bytes, requestTimeout: 10_000, connectionTimeout: 10_000 });

  const refuse = (reply, status, error, problems = []) => reply.code(status).send({ error, problems: problems.slice(0, limits.problems) });

  app.removeContentTypeParser('text/plain'); // what is not JSON is 415
  app.setErrorHandler((error, request, reply) => {
    if (error.statusCode >= 400 && error.statusCode < 500) return refuse(reply, error.statusCode, error.message);
    if (error instanceof Busy || error instanceof TooLong) return refuse(reply.header('retry-after', 1), 503, error.message);
    request.log.error(error);
    return refuse(reply, 500, 'the service is at fault');
  });
  app.setNotFoundHandler((request, reply) => refuse(reply, 404, 'there is no such page'));
  app.addHook('onClose', () => pool.close());

  app.get('/openapi.json', () => description);
  app.get('/catalogues/:name', (request, reply) => {
    const { name } = request.params;
    return Object.hasOwn(catalogues, name) ? catalogues[name] : refuse(reply, 404, 'no such catalogue');
  });
  for (const [question, { asks }] of Object.entries(questions)) {
    const sound = ajv.getSchema(`service#/components/schemas/${asks}`);
    app.post(`/${question}`, async (request, reply) => {
      if (!sound(request.body)) return refuse(reply, 422, 'the job makes no sense', problems_of(sound.errors));
      const { answer, problems } = await pool.ask(question, request.body);
      if (problems) return refuse(reply, 422, 'the job makes no sense', problems);
      return reply.type('application/json; charset=utf-8').send(answer);
    });
  }
  return app;
}
