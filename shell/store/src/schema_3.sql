-- Version 3. Never edited once used: a change is a new file.
-- Typed entries asked for by time alone, and the mornings whose forecasts were kept.
create index fact_when on fact (farm, happened_s);
create index forecast_morning on forecast (farm, program, made_ms);
